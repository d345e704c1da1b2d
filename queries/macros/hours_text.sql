-- hours_text: hours of two places, half up, of whole milliseconds not below 0, for a message.
CREATE MACRO hours_text(ms) AS
((ms * 100 + 1800000) // 3600000 // 100)::VARCHAR || '.'
|| lpad(((ms * 100 + 1800000) // 3600000 % 100)::VARCHAR, 2, '0')
