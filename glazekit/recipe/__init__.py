"""Recipe: lines as written, read from files and pasted text, turned into a batch sheet, rescued when something slips."""
