"""Reading any table: dialects, heads, layouts, guessing, workbooks."""
