"""What was found on one roof: reading the survey file, its statistics, and what is missing."""
