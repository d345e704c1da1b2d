-- minute_of_day: minutes from midnight to a time of day, h:mm up to 24:00, null of anything else.
CREATE MACRO minute_of_day(text) AS
CASE WHEN regexp_full_match(text, '([01]?[0-9]|2[0-3]):[0-5][0-9]|24:00')
    THEN split_part(text, ':', 1)::BIGINT * 60 + split_part(text, ':', 2)::BIGINT END
