"""A roof's faces, where its rafters stand, and which members it takes."""
