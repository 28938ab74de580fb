//! Layout, symbols and style to a scene.
