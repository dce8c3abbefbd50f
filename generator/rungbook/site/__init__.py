"""The MkDocs plugin, one page model a file, browser data, sheets, atomic publishing."""
