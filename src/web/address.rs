//! What an address names: steps of its path as the names of records, refused where they cannot be any.

use crate::catalogue::MethodId;
use crate::records::{BlendCode, MachineSlug, RigId, TrialSlug};
use crate::web::error::HttpError;
use axum::extract::{FromRequestParts, Path};
use axum::http::request::Parts;
use serde::de::DeserializeOwned;

/// A name that stands in an address.
pub(crate) trait InAddress: Sized {
    /// The steps of the path that hold it.
    type Steps: DeserializeOwned + Send;
    /// What is said where nothing has the name.
    const NOTHING: &'static str;

    /// The name, where the steps can be one.
    fn of_steps(steps: Self::Steps) -> Option<Self>;
}

/// What the address of a request names.
pub(crate) struct At<T>(pub(crate) T);

impl<T: InAddress, S: Send + Sync> FromRequestParts<S> for At<T> {
    type Rejection = HttpError;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, HttpError> {
        let steps = Path::<T::Steps>::from_request_parts(parts, state).await.ok();
        let named = steps.and_then(|Path(steps)| T::of_steps(steps));
        named.map(Self).ok_or_else(nothing::<T>)
    }
}

/// Nothing has the name that an address holds.
pub(crate) fn nothing<T: InAddress>() -> HttpError {
    HttpError::not_found(T::NOTHING)
}

macro_rules! names {
    ($($name:ident: $nothing:literal;)*) => {
        $(impl InAddress for $name {
            type Steps = String;
            const NOTHING: &'static str = $nothing;

            fn of_steps(step: String) -> Option<Self> {
                Self::new(&step)
            }
        })*
    };
}

names! {
    BlendCode: "No blend has this code.";
    MethodId: "No method has this id.";
    MachineSlug: "No machine has this name.";
    RigId: "No rig has this name.";
    TrialSlug: "No trial has this name.";
}
