"""Published programs on one map: load times count against what each found at hip and spine."""
