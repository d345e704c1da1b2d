-- kind_of_pay: the kind of time booked: absence is paid and not worked, what is booked elsewhere never is.
CREATE MACRO kind_of_pay(booked_to, class_kind) AS
CASE
    WHEN booked_to = 'absence' THEN 'paid_not_worked'
    WHEN class_kind IN ('premium_only', 'allowance') THEN class_kind
    ELSE 'worked'
END
