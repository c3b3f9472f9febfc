"""What a finding is, in words, and which fields cause it."""
