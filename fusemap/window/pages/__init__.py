"""Pages that take the whole room: tables, plan, comparison, what goes on paper."""
