"""The screens; they hold no rules."""
