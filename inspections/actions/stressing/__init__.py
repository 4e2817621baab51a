"""What is done to a stressing day: drafted, released, withdrawn, logged, finished; one file per verb."""
