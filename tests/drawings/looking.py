"""What is looked for on every sheet."""


def met(paper):
    """Words that stand on words."""
    boxes = [one.box for one in paper.words]
    return [
        (paper.words[i].text.words, paper.words[j].text.words)
        for i in range(len(boxes))
        for j in range(i)
        if boxes[i].meets(boxes[j])
    ]


def unboxed(paper):
    """Words of what is unknown that no box stands round."""
    boxes = [line for line in paper.leads if line.layer == "verify" and line.closed]
    corners = {line.points for line in boxes}
    return [
        one.text.words
        for one in paper.words
        if one.text.layer == "unknown"
        and not any(
            min(x for x, _ in points) <= one.box.left <= max(x for x, _ in points)
            and min(y for _, y in points) <= one.box.low <= max(y for _, y in points)
            for points in corners
        )
    ]
