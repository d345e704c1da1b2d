-- line_alike_but_note: all that makes two sheet lines the same but their notes.
CREATE MACRO line_alike_but_note(line) AS
{
    'sheet': line.sheet, 'week': line.week, 'worker_id': line.worker_id,
    'date_text': line.date_text, 'duration': line.duration, 'start_time': line.start_time,
    'finish_time': line.finish_time, 'break_text': line.break_text,
    'booking_code': line.booking_code, 'job': line.job,
    'pay_class': line.pay_class, 'trade': line.trade, 'rework': line.rework
}
