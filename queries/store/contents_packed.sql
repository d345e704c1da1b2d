-- contents_packed: the content that is kept packed, in order, some rows of it.
-- In:  $after BIGINT, rows passed over; $most BIGINT; $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; sha256 VARCHAR; byte_count BIGINT; packing VARCHAR; data BLOB
SELECT batch, row, sha256, byte_count, packing, data
FROM known_content($upto)
WHERE data IS NOT NULL AND packing IS NOT NULL
ORDER BY batch, row
LIMIT $most
OFFSET $after
