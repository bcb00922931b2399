//! Blends as somebody enters them.

use crate::app::{App, AppError};
use crate::intake::{BlendDraft, BlendNames, BlendReading, child_of, read_blend};
use crate::records::{Blend, BlendCode, Component};
use crate::store::StoreError;

/// What the form of a blend offers.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendChoices {
    /// All blends, as they were entered.
    pub blends: Vec<Blend>,
    /// All components.
    pub components: Vec<Component>,
}

impl BlendChoices {
    /// What a draft comes to.
    pub fn read(&self, draft: &BlendDraft) -> BlendReading {
        let names = BlendNames {
            blends: &self.blends,
            components: &self.components,
        };
        read_blend(draft, names)
    }

    /// A draft of a blend changed from another one; `None` where there is no such blend.
    pub fn child_of(&self, parent: &BlendCode) -> Option<BlendDraft> {
        let parent = self.blends.iter().find(|known| &known.code == parent)?;
        Some(child_of(parent, &self.components))
    }
}

impl App {
    /// What the form of a blend offers.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn blend_choices(&self) -> Result<BlendChoices, AppError> {
        Ok(BlendChoices {
            blends: self.store().read_blends().await?,
            components: self.store().read_components().await?,
        })
    }

    /// Keeps a new blend with the components that are new with it.
    ///
    /// # Errors
    /// `Question` where its code is taken.
    pub async fn save_blend(&self, blend: &Blend, components: &[Component]) -> Result<(), AppError> {
        match self.store().insert_blend(blend, components).await {
            Err(StoreError::AlreadyThere(_)) => {
                let problem = "is the code of another blend; take another one";
                Err(AppError::question("code", problem))
            }
            other => Ok(other?),
        }
    }
}
