"""The lab's database: SQLite, one writer thread, migrations."""
