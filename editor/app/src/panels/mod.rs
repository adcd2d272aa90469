//! Pages and dialogs that stand by themselves: each shows what a function of `rules` or `library` returned and hands
//! back what a person asked for. None of them changes the document.

pub mod compare;
pub mod fit;
pub mod library;
pub mod mass_summary;
pub mod new_profile;
pub mod procedures;
pub mod publish;
pub mod reviews;
pub mod situations;
