-- question_text: what a person is to do about a line that may be one of the book.
CREATE MACRO question_text(other, line) AS
other || '; if it is the same line: `fairhours reject line ' || line
|| ' --reason "the same"`, if not: `fairhours release line ' || line
|| ' --reason "another"`'
