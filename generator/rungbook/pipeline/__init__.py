"""Read, compute, check: once, in that order, with a cache.

Decisions that bind here:

- What is to be shown or drawn is analysed as a whole (`analyse`); what is only to be checked, in
  portions (`check`, `settling`): a library falls into parts that have nothing to do with each
  other (`parts`). A new check may compare exercises only where `parts` joins them; else its
  findings would depend on which files a process happens to read.
- There is one way to check: the first check, the check after an edit and the check without a
  cache differ in which parts they take, and all say what the analysis of the whole says, byte for
  byte, with any number of processes.
- What one run makes for the next lies in one store (`store`), each piece under a key that names
  all it was made from; keys are made in one place. Nothing kept is ever needed, nothing is kept in
  the library, and nothing that is read back can run (`packed`).
"""
