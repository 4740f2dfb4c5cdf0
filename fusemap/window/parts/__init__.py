"""Parts that several views are made of: lists, tables, the sum behind a number, exports."""
