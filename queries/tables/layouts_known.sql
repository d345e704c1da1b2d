-- layouts_known: the layouts kept in the book, of each name the newest.
-- In:  $upto BIGINT, the last batch that counts
-- Out: name VARCHAR, its file's; sha256 VARCHAR; data BLOB
WITH newest AS (
    SELECT name, sha256
    FROM known_file($upto)
    WHERE kind = 'layout'
    QUALIFY row_number() OVER (PARTITION BY name ORDER BY batch DESC, row DESC) = 1
)

SELECT n.name, n.sha256, c.data
FROM newest AS n
INNER JOIN current_content($upto) AS c USING (sha256)
ORDER BY n.name
