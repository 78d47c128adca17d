"""The command that makes the scale bars of many photographs."""
