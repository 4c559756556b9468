"""Exit codes: 0 done; 1 faults in the user's files; 2 wrong usage; 3 cannot be vouched for; 70 a bug of ours."""

FAULTS, WRONG_USAGE, CANNOT_VOUCH, OUR_BUG = 1, 2, 3, 70
