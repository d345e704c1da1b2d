-- batch_schema_early: the schema version of a book from before batches had secrets.
-- In:  none
-- Out: schema_version BIGINT
SELECT max(schema_version) AS schema_version
FROM known_batch(9223372036854775807)
ORDER BY schema_version
