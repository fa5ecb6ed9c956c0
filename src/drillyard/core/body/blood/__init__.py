"""Blood: what it carries and how acid it is."""
