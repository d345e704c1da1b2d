-- premium_rate: what an hour costs beside its rate, in 1/10000 of the currency, of a share in 1/10000; half away from zero.
CREATE MACRO premium_rate(cost_per_hour, share) AS
(cost_per_hour::HUGEINT * share + 5000) // 10000
