"""The workshop file: tables, migrations, the ledger, queries."""
