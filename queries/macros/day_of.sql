-- day_of: the day of an ISO 8601 date, also of its midnight, null of anything else.
CREATE MACRO day_of(text) AS
CASE WHEN regexp_full_match(text, '[0-9]{4}-[0-9]{2}-[0-9]{2}([T ]00:00(:00(\.0+)?)?)?')
    THEN TRY_CAST(left(text, 10) AS DATE) END
