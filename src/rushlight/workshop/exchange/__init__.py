"""In and out: tables that come in, and what leaves as files."""
