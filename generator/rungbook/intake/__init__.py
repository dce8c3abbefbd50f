"""What people have in tables, in: turned to drafts that reading accepts.

Whatever cannot be understood stays in the draft, word for word. Columns are those of the
exported table, so that what went out comes in again.
"""
