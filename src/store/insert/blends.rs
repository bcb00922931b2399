//! Writing one blend with the components that it is the first to hold.

use crate::records::{Blend, Component};
use crate::store::insert::{count_a_write, write_blend, write_component};
use crate::store::{Store, StoreError};

impl Store {
    /// Writes a new blend and the components that are not there yet.
    ///
    /// # Errors
    /// `AlreadyThere` where its code is taken.
    pub async fn insert_blend(&self, blend: &Blend, components: &[Component]) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let taken: i64 = sqlx::query_scalar("SELECT EXISTS (SELECT 1 FROM blends WHERE blend = $1)")
            .bind(blend.code.as_str())
            .fetch_one(&mut *transaction)
            .await?;
        if taken != 0 {
            return Err(StoreError::AlreadyThere(format!("the blend {}", blend.code)));
        }
        for component in components {
            let known: i64 =
                sqlx::query_scalar("SELECT EXISTS (SELECT 1 FROM components WHERE component = $1)")
                    .bind(component.name.as_str())
                    .fetch_one(&mut *transaction)
                    .await?;
            if known == 0 {
                write_component(&mut transaction, component).await?;
            }
        }
        write_blend(&mut transaction, blend).await?;
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(())
    }
}
