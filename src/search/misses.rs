//! What came nearest where nothing passes.
