"""What stands between the library and the class: panels, lessons' figures, exercises, the start and its pages."""
