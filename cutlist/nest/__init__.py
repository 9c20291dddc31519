"""Board plans: sticks with angled ends cut from boards of several lengths and prices."""
