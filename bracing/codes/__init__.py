"""Published rules, a folder or module a standard: strengths and pressures, with their clauses."""
