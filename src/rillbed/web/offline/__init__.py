"""Without network: entries wait on the phone and are sent later, pages seen once can be seen again."""
