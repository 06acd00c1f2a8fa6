"""From a book to its finished files."""
