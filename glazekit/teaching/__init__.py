"""Teaching: exercises and their checker, printable sheets, the lessons themselves and where a page was left."""
