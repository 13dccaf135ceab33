"""From pages of marks to PDF: drawing decides nothing."""
