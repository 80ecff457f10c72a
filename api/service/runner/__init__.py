"""Work in killable child processes: solves in a fair queue, readings and writings beside them."""
