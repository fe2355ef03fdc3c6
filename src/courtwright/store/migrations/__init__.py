"""Steps from an older store to this one; run by `courtwright.store.open`."""
