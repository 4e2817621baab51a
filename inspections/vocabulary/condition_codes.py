"""The ten-step scale of the component ratings: code, word, and what it means in short words of our own.

Words of the scale: condition rating of items 58 to 62 of the 1995 record [memory]; the sentences are ours.
"""

COMPONENT_CODES = (
    ("9", "Excellent", "as new, nothing to report"),
    ("8", "Very good", "nothing that needs noting"),
    ("7", "Good", "a few small faults"),
    ("6", "Satisfactory", "small wear or decay, nothing weakened"),
    ("5", "Fair", "sound main members, minor section lost, checks or decay begun"),
    ("4", "Poor", "section loss, decay or crushing is well along"),
    ("3", "Serious", "loss has reached main members; local failure is possible"),
    ("2", "Critical", "main members far gone; may have to close unless watched"),
    ("1", "Imminent failure", "closed to traffic; repair may bring it back"),
    ("0", "Failed", "out of service, beyond repair"),
    ("N", "Not applicable", "the structure has no such part"),
)
