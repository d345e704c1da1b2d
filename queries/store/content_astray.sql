-- content_astray: bytes kept as they are that are not of the digest and length by which they are found.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT batch, row
FROM known_content($upto)
WHERE data IS NOT NULL AND packing IS NULL AND (sha256(data) IS DISTINCT FROM sha256 OR octet_length(data) IS DISTINCT FROM byte_count)
ORDER BY batch, row
