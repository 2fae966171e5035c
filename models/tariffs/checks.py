def checked(t): return []
def checked_together(t): return []
