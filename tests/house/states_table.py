"""The states as DEVELOPERS.md prints them, made from the table the site enforces."""

from inspections.rules import lifecycle


def table() -> str:
    lines = ["| | state | who must act | may become |", "| --- | --- | --- | --- |"]
    for kind in sorted(lifecycle.STATES):
        for state in lifecycle.STATES[kind]:
            moves = dict.fromkeys(move.to for move in lifecycle.MOVES[kind] if move.start == state)
            names = [state.upper(), lifecycle.OWNERS[kind][state].words, ", ".join(to.upper() for to in moves)]
            lines.append(f"| {kind} | {' | '.join(names)} |".replace("|  |", "| |"))
    return "\n".join(lines) + "\n"
