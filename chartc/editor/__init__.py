"""What an editor asks while a chart is being written: a language server (an extra) over answers that need none."""
