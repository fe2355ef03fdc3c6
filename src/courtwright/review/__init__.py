"""What a season's facts come to: rates, ratings, differences and forecasts, each with what it does not know."""
