"""Refusals of `ledger/documents` in words: what was issued, sent and replied."""

WORDINGS = {
    "document_unknown": 'there is no document "{document}"; {remedy} lists them',
    "document_erased": "{document}: was erased",
    "document_overtaken": (
        "the book was written {tries} times while the page was made; nothing was issued: try again"
    ),
    "document_not_written": "{document} is issued, but the copy failed: {because}; {remedy}",
    "sent_before_issue": "{document}: sent {sent_on}, before it was issued on {issued_on}",
    "reply_due_before": "{document}: the reply is due {reply_by}, before it was sent on {sent_on}",
    "never_sent": "{document}: no such sending is recorded; {remedy}",
    "reply_before_sending": "{document}: replied {replied_on}, before it was sent on {sent_on}",
    "right_fact_of_final_account": "withdraw the final account alone, then agree it again",
    "right_fact_of_payment": "withdraw the payment alone, then {remedy} with the right row",
    "right_fact_of_sending": "a sending has no file; withdraw it, then enter it by {remedy}",
}
