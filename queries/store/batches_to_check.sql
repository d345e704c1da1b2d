-- batches_to_check: all that is recorded of each batch; of actor and command what is sealed.
-- In:  $upto BIGINT, the last batch that counts
-- Out: sequence BIGINT; recorded_at TIMESTAMP, UTC; secret BLOB; actor_hash VARCHAR; command_hash VARCHAR; program_version VARCHAR; schema_version BIGINT; previous_head VARCHAR; head VARCHAR
SELECT sequence, recorded_at, secret, actor_hash, command_hash, program_version, schema_version, previous_head, head
FROM stored_batch($upto)
ORDER BY sequence
