"""What the glaze is once it has cooled, and how it runs before: property estimates with measured intervals."""
