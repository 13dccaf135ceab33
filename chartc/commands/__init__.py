"""The commands, a module each. A command module has `add`, which says its options, and imports what is heavy when it runs."""
