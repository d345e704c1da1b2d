-- attached: the files attached to a change, with their bytes and the salts of what was sealed of them; what the yard kept with a price that it had not sent is its own.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; event VARCHAR, null of the request itself; day DATE; name VARCHAR; name_salt BLOB; sha256 VARCHAR; salt BLOB, of the digest; data BLOB, null once erased
SELECT a.batch, a.row, a.event, a.day, a.name, a.name_salt, a.sha256, a.sha256_salt AS salt, c.data
FROM stored_attachment($upto) AS a
LEFT JOIN current_content($upto) AS c ON c.sha256 = a.sha256
WHERE a.job = $job AND a.change = $change AND a.event IS DISTINCT FROM 'priced'
ORDER BY a.batch, a.row
