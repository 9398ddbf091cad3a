"""The workbench in the browser: a local page for one person's jobs."""
