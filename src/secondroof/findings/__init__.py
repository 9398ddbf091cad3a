"""From survey and recover to findings: every check joined, the worst picked once, the verdict said."""
