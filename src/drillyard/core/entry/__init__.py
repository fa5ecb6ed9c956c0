"""The entry line: typed shorthand in, checked action and full sentence out."""
