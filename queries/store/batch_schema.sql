-- batch_schema: the schema version that the newest batch was written with.
-- In:  none
-- Out: schema_version BIGINT
SELECT max(schema_version) AS schema_version
FROM stored_batch(9223372036854775807)
ORDER BY schema_version
