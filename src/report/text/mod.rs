//! Text for people.
