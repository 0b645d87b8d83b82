"""Net contents: what to declare, how large, whether a lot of jars holds it, where to aim."""
