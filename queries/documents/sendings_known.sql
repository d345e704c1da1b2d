-- sendings_known: the register of what was sent, in the order it was.
-- In:  $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; document VARCHAR; number BIGINT, the n-th sending of it; kind VARCHAR; job VARCHAR; change VARCHAR; sent_to VARCHAR; sent_on DATE; sent_by VARCHAR; reply_due DATE; replied_on DATE; replied_by VARCHAR; answer VARCHAR; note VARCHAR; attachment VARCHAR, the id of the reply's file; attached_batch BIGINT; attached_row BIGINT
SELECT
    'sending:' || s.batch || '.' || s.row AS id,
    s.document,
    s.number,
    d.kind,
    d.job,
    d.change,
    s.sent_to,
    s.sent_on,
    s.sent_by,
    s.reply_due,
    s.replied_on,
    s.replied_by,
    s.answer,
    s.note,
    'attachment:' || s.attached_batch || '.' || s.attached_row AS attachment,
    s.attached_batch,
    s.attached_row
FROM current_sending($upto) AS s
LEFT JOIN known_document($upto) AS d ON d.document = s.document
ORDER BY s.sent_on, s.document, s.number
