"""Long work: what adds files, prepares, listens and exports, and the engine that runs it in processes."""
