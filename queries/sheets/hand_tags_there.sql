-- hand_tags_there: whether any line was ever tagged by hand.
-- In:  $upto BIGINT, the last batch that counts
-- Out: is_there BOOLEAN
SELECT EXISTS (SELECT 1 FROM known_hand_tag($upto)) AS is_there
ORDER BY is_there
