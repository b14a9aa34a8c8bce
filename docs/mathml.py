"""Equations of the pages as MathML, which browsers draw by themselves: the pages need no network."""

from latex2mathml.converter import convert


def visit_inline(writer, node):  # noqa: ANN001, ANN201
    """Write an equation inside a line."""
    from docutils import nodes

    writer.body.append(convert(node.astext()))
    raise nodes.SkipNode


def visit_block(writer, node):  # noqa: ANN001, ANN201
    """Write an equation on a line of its own."""
    from docutils import nodes

    writer.body.append(convert(node.astext(), display="block"))
    raise nodes.SkipNode


def setup(app):  # noqa: ANN001, ANN201
    """Register as a renderer of equations."""
    app.add_html_math_renderer("mathml", (visit_inline, None), (visit_block, None))
