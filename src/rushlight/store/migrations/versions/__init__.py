"""One module for each step of the schema, numbered; never edited once released."""
