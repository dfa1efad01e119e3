// What a page does by itself: nothing yet that the server does not.
