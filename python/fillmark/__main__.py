"""``python -m fillmark``: what is in this build."""

import fillmark


def main() -> None:
    """Print version and build, then every public name with its first line of documentation."""
    info = fillmark.build_info()
    print(f"fillmark {info['version']} ({info['profile']}; {', '.join(info['features'])})")
    for name in fillmark.__all__:
        if not name.startswith("_"):
            print(f"  {name:<16} {(getattr(fillmark, name).__doc__ or '').strip().splitlines()[0]}")


if __name__ == "__main__":
    main()
