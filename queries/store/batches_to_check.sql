-- batches_to_check: all that is recorded of each batch.
-- In:  $upto BIGINT, the last batch that counts
-- Out: sequence BIGINT; recorded_at TIMESTAMP, UTC; actor VARCHAR; command VARCHAR; program_version VARCHAR; schema_version BIGINT; previous_head VARCHAR; head VARCHAR
SELECT sequence, recorded_at, actor, command, program_version, schema_version, previous_head, head
FROM known_batch($upto)
ORDER BY sequence
