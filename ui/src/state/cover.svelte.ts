/** How much lies over the map, px: each part says how tall it is, as it is drawn. */
class Cover {
  /** What is in hand, above the board. */
  hand = $state(0);
  /** The most that it may take, so that its pin can still be seen above it. */
  most = $state(Infinity);
  /** As tall as what is in hand has been since it was picked up: the map doesn't follow each word that comes and goes. */
  tallest = $state(0);
}

export const cover = new Cover();
