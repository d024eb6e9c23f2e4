"""Work and the plan for it: minutes, the vet's steps beside what was done, and the grades of the days after."""
