"""The fish: ration, the days ahead, growth against weighings, kilograms against limits."""
