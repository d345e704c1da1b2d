-- content_to_check: the bytes kept in the book with their digest.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; data BLOB; sha256 VARCHAR
SELECT batch, row, data, sha256
FROM known_content($upto)
ORDER BY batch, row
