"""The plan of a study: base, what varies, what is asked, what is wanted."""
