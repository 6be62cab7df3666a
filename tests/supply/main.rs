//! The supply engine against figures from outside and the laws of physics.

mod computed;
mod parts;
mod reference;
mod debug;
