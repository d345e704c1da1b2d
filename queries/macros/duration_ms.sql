-- duration_ms: milliseconds of decimal hours, up to five decimals, or of h:mm or h:mm:ss; null of anything else.
CREATE MACRO duration_ms(text) AS
CASE
    WHEN regexp_full_match(text, '[0-9]{1,6}(\.[0-9]{1,5})?')
        THEN split_part(text, '.', 1)::BIGINT * 3600000 + rpad(split_part(text, '.', 2), 5, '0')::BIGINT * 36
    WHEN regexp_full_match(text, '[0-9]{1,6}:[0-5][0-9](:[0-5][0-9])?')
        THEN split_part(text, ':', 1)::BIGINT * 3600000
            + split_part(text, ':', 2)::BIGINT * 60000
            + coalesce(nullif(split_part(text, ':', 3), ''), '0')::BIGINT * 1000
END
