"""The lesson script and the book file: grammar, loading with line numbers, checking."""
