"""Paper for the foremen: booking codes and weekly sheets."""
