"""All loops of one person: which is shown, another one, and the end of one."""
