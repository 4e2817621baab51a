"""What ops/serve, ops/check, ops/backup and ops/restore share. Standard library only: it runs before .venv exists."""
