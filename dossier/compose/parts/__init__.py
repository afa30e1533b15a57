"""What several documents print alike: look and head, photos, products, coverages, gaps, the words explained."""
